"""From a person's own words to what they may mean. Nothing here is taken as an answer; that is for the person to say."""
