"""What a client sends and gets: requests, views, answers, problems, contract."""
