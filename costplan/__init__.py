"""costplan: what powering each machine of a small shop costs over the years."""
