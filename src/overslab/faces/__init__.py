"""Show and ask; compute nothing."""
