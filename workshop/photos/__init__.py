"""Photos of wood and bows: taken in, checked, turned upright, kept without the camera's notes."""
