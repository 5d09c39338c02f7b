"""What every test shares: a Hypothesis profile that measures no time, so that a slow machine fails nothing."""

from hypothesis import settings

settings.register_profile("house", deadline=None, print_blob=True)
settings.load_profile("house")
