"""The corner: faces, pieces, laps, stacks and changes."""
