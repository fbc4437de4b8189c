"""Which arrows and which string suit a bow: reckoned from what was weighed and shot, written nowhere."""
