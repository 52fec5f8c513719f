"""What the user describes: the shop, the catalog, and the checks across both."""
