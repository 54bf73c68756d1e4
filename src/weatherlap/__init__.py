"""Weatherlap: one model of a damaged building corner, from the first call to the close-out."""

__version__ = "0.1.0"
