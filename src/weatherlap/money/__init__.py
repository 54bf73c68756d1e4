"""Money: cost book, price, hidden damage, change orders."""
