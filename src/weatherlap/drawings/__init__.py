"""Results to SVG: elevations, sections, exploded views, stages."""
