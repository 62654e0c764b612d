"""The shapes of what is answered: typed, and open, so that they can grow. They describe; answers are built as plain documents."""
