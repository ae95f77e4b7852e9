"""Stage 5, compose: a piece with everything it rests on, as plain data free of any format."""
