pub(super) fn check(_site: &crate::model::Site, _figures: &crate::figures::Figures, _context: &super::Context, _findings: &mut Vec<crate::finding::Finding>) {}
