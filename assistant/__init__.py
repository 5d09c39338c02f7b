"""Hands-free, offline assistant that sets out fence pickets from spoken bay lengths."""

__version__ = "0.3.1"
