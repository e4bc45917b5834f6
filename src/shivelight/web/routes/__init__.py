"""One module of addresses for each page: parse, call the workbench, show."""
