"""The tables of a schedule for spreadsheets and for web pages."""
