"""Take-off: quantities, buy list, cutting."""
