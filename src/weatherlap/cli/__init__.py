"""The command line."""

from weatherlap.cli.app import main

__all__ = ["main"]
