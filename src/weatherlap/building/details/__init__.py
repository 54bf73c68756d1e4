"""Ready corners with a few dimensions that write faces and pieces."""
