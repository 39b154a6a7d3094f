"""The sheet as vector PDF: text, tables, pictures and charts, with bookmarks."""
