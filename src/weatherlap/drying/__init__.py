"""Drying: heat and moisture through the stack, materials, climate."""
