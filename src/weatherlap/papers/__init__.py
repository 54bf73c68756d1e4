"""Results to typeset pages, labels, story pole and exchange files."""
