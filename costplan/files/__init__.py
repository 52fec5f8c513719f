"""Reading and writing files: the line and column of every value, and words for all that can be wrong."""
