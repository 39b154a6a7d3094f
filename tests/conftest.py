"""Settings that all tests share."""

from hypothesis import settings

# How long one example takes says nothing on a busy machine; benchmarks measure time.
settings.register_profile("edgefinder", deadline=None)
settings.load_profile("edgefinder")
