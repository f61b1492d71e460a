"""What would fix a build and how far it can go: evaluation called again and again."""
