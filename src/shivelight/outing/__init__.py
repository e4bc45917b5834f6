"""The outing before, during and after: wishes, the overlap, the choice, the sheet, the log."""
