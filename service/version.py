"""The version of the service; the package takes it from here, and a test holds the image and its manifests to it."""

VERSION = "0.1.0"
