"""Job files written for the user: a commented one to start from, and everyday bends asked for by flags."""
