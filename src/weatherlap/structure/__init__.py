"""Holding it up: loads, frame, timber, fasteners, anchors, shoring."""
