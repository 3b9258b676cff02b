pub(super) fn check(_site: &crate::model::Site, _findings: &mut Vec<crate::finding::Finding>) {}
