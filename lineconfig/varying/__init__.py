"""One brief varied: needs with something changed, and studies that share what stays."""
