"""Files to drawn lines at true size, with findings about what was unusual."""
