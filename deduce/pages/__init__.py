"""Whole documents made of words and pictures: pages, storyboards, charts."""
