"""Growth: which line to buy now so that later years build on it."""
