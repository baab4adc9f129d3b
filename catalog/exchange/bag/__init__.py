"""The whole catalog as a BagIt bag (RFC 8493) that can be read without this program, and the way back."""
