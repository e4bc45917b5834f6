"""What each page says, as one frozen value: made from the workbench's results, shown or dumped."""
