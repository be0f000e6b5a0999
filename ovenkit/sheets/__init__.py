"""Printed pages: the sheet on the wall, the log, the oven's card. Black on white, large."""
