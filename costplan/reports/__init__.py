"""The comparison as text and as plain data."""
