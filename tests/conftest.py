"""What holds for all tests: how long one may take says nothing, on machines that others use too."""

from hypothesis import settings

settings.register_profile("clearover", deadline=None)
settings.load_profile("clearover")
