"""The web app: the same job on a phone and at the kitchen table."""
