"""One form for each deed in the store."""
