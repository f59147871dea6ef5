"""The edit: what the editor needs to know about each segment."""
