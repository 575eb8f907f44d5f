"""From a person's own words to what they may mean. Nothing here is an answer yet; that is for the person to say."""
