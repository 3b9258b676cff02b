//! What an editor can show of a plan: one file a feature, plain data in and out
