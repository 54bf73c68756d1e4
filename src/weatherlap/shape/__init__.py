"""Polygons, frames and folds in space; no building words."""
