"""The workbench on screen: what the command line can do, as pages for a laptop and a phone."""
