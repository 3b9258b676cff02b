//! Joints, and runs of cable with their paths.

use super::{Named, Resolver, label};
use crate::model::at::At;
use crate::model::catalog::owned;
use crate::model::site::*;
use crate::model::words::Words;
use crate::source::{self, Form, Point, Span};
use crate::vocabulary::{self, Context, Dimension};

impl<'a> Resolver<'a> {
    pub(super) fn joint(&mut self, words: Words<'a>) {
        let Some(name) = words.name() else { return };
        let id = self.site.joints.len();
        self.name(name, Named::Joint(id));
        let ohms = words.said_or("resistance", Some(0.0), |words| {
            Some(words.amount(Dimension::Resistance)?.value)
        });
        self.site.joints.push(Joint {
            name: owned(name),
            label: label(words),
            ohms,
            span: words.statement.span,
        });
    }

    pub(super) fn run(&mut self, words: Words<'a>) {
        let name = words.name();
        if let Some(name) = name {
            self.run_name(name);
        }
        let cable_item = self.model(words, "cable");
        let mut paths = Vec::new();
        for inner in words.body() {
            if let Some(path) = &inner.statement.path {
                let statement = inner.statement;
                let open = path.points.len() <= path.legs.len();
                self.site.paths_unread |=
                    open || !statement.arguments.is_empty() || !statement.body.is_empty();
                let path = self.path(path, inner.statement.span);
                paths.push(path);
            } else if inner.statement.form != Form::Clause
                && vocabulary::word(inner.keyword(), Context::Run).is_none()
            {
                // It may be meant for a route.
                self.site.paths_unread = true;
            }
        }
        // A path without its braces stands behind the model.
        let model = words.statement.model.as_ref();
        self.site.paths_unread |= model.is_some_and(|(_, values)| values.len() > 1);
        let carries = words.get("carries");
        let is_data = |words: &Words| words.name().is_some_and(|what| what.value == "data");
        self.site.paths_unread |= carries.is_some_and(|words| !is_data(&words));
        let Some(name) = name else {
            self.site.paths_unread |= !paths.is_empty();
            return;
        };
        self.site.runs.push(Run {
            name: owned(name),
            label: label(words),
            cable_name: words.model().map(owned),
            cable_item,
            doubled: words.get("doubled").map(|words| words.statement.head),
            data_only: carries.is_some(),
            paths,
            span: words.statement.span,
            head: words.statement.head,
        });
    }

    fn run_name(&mut self, name: At<&'a str>) {
        self.declare(name.span);
        let mut runs = self.site.runs.iter();
        if let Some(first) = runs.find(|run| run.name.value == name.value) {
            let spot = self.site.spot(first.name.span);
            self.taken(name, spot);
        }
    }

    fn path(&mut self, path: &'a source::Path, span: Span) -> Path {
        let points = path.points.iter().map(|point| self.point(point)).collect();
        let legs = path.legs.iter().map(|leg| self.leg(leg)).collect();
        Path { points, legs, span }
    }

    fn point(&mut self, point: &'a Point) -> At<Vec<At<Terminal>>> {
        let terminals: Vec<At<Terminal>> = point
            .references
            .iter()
            .map(|value| At {
                value: self.terminal(value),
                span: value.span,
            })
            .collect();
        let unknown = |at: &At<Terminal>| at.value == Terminal::Unknown;
        self.site.paths_unread |= terminals.iter().any(unknown);
        At {
            value: terminals,
            span: point.span,
        }
    }

    fn leg(&mut self, leg: &'a source::Leg) -> At<Option<f64>> {
        let metres = leg.length.as_ref().and_then(|length| {
            let unit = vocabulary::unit(self.item.text(length.unit?))?;
            let metres = unit.read(length.number.value)?;
            (unit.dimension == Dimension::Length).then_some(metres)
        });
        At {
            value: metres.filter(|metres| *metres >= 0.0),
            span: leg.span,
        }
    }
}
