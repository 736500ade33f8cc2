"""Judgements, one a file, in folders by what they look at."""
