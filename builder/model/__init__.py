"""What the author's files hold, as frozen models that know nothing of files."""
