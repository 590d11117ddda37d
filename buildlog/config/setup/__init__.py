"""From a bare machine to a running interpreter with everything in it.

Standard library only, and written so that an old Python can still read it and say what is missing:
these modules run before anything is installed.
"""
