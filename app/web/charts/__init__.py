"""Pictures drawn by the server as SVG."""
