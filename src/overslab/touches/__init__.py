"""What the raised floor upsets, and who puts it right."""
