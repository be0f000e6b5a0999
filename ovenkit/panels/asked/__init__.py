"""What the lessons ask: the guesses and the marked questions of each scene."""
