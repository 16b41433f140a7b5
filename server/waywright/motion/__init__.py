"""Where the slides really go, and how long it takes."""
