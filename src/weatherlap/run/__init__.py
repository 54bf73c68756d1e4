"""One function a question; the worked-out job; no files, no clock."""
