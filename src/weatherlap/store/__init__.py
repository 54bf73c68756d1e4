"""Jobs with every revision, and photos: the only place with a database."""
