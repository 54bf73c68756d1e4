"""Cutting plans for bars, coil, sheets and rolls."""
