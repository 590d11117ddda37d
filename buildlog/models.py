"""Re-exports, so that Django finds the models. Feature code imports its own `.models`."""
