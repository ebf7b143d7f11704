"""Build, mask, seal and prove the packets that leave a tax office."""

__version__ = "0.1.0"
