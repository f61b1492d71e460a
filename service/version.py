"""The version of the service; the package takes it from here, a test holds the image and manifests to it."""

VERSION = "0.1.0"
