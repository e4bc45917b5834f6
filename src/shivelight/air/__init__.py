"""The coming air: forecast, mist and fog, wind at leaf height, and cloud on the hill.

Forecasts enter as numbers in one table, with one member or many; the modules here turn them into
chances and ranges with their doubts, and know nothing of files, clocks or places' names.
"""
