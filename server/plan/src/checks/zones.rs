pub(super) fn check(_site: &crate::model::Site, _figures: &crate::figures::Figures, _findings: &mut Vec<crate::finding::Finding>) {}
