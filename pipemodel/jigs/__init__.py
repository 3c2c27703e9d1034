"""The checking jig: a printed block that the finished piece lies in when it is right, and does not when it isn't."""
