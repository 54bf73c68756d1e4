"""Bent metal: profiles, flat patterns, bend order."""
