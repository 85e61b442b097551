"""Questions to practise with, their pictures, when each comes back, and how ready a learner is."""
