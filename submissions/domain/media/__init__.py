"""From a file a stranger sent to a clip a coach can step through. Takes paths and plain values, never a row."""
