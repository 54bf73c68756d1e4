"""The register that every figure cites, and the catalogue of the trade's stuff."""

from weatherlap.sources.register import Source, source, sources

__all__ = ["Source", "source", "sources"]
