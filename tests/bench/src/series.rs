//! Measured values, and what is told of them.

use serde::Serialize;

/// All values of one thing on one case.
#[derive(Debug, Clone, Serialize)]
pub struct Series {
    /// The case's short name.
    pub case: String,
    /// Who was measured.
    pub server: String,
    /// What was measured.
    pub metric: String,
    /// `ms` or `MB`.
    pub unit: &'static str,
    /// The values, in the order in which they came.
    pub values: Vec<f64>,
}

impl Series {
    /// The least value that so many percent of the values do not exceed.
    pub fn percentile(&self, percent: f64) -> f64 {
        let mut sorted = self.values.clone();
        sorted.sort_by(f64::total_cmp);
        let rank = (percent / 100.0 * sorted.len() as f64).ceil() as usize;
        sorted
            .get(rank.saturating_sub(1))
            .copied()
            .unwrap_or(f64::NAN)
    }

    /// The median.
    pub fn median(&self) -> f64 {
        self.percentile(50.0)
    }
}

/// Series as they are made.
#[derive(Debug, Default, Clone, Serialize)]
#[serde(transparent)]
pub struct Results(pub Vec<Series>);

impl Results {
    /// Adds values to what there is already of the same thing.
    pub fn add(
        &mut self,
        case: &str,
        server: &str,
        metric: &str,
        unit: &'static str,
        values: Vec<f64>,
    ) {
        if values.is_empty() {
            return;
        }
        let known = self.0.iter_mut().find(|series| {
            series.case == case && series.server == server && series.metric == metric
        });
        match known {
            Some(series) => series.values.extend(values),
            None => self.0.push(Series {
                case: case.to_string(),
                server: server.to_string(),
                metric: metric.to_string(),
                unit,
                values,
            }),
        }
    }

    /// What there is of a thing.
    pub fn get(&self, case: &str, server: &str, metric: &str) -> Option<&Series> {
        self.0.iter().find(|series| {
            series.case == case && series.server == server && series.metric == metric
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentiles_are_nearest_ranks() {
        let mut results = Results::default();
        results.add(
            "c",
            "s",
            "m",
            "ms",
            (1..=100).rev().map(f64::from).collect(),
        );
        let series = results.get("c", "s", "m").unwrap();
        let told = [50.0, 95.0, 99.0, 100.0].map(|percent| series.percentile(percent));
        assert_eq!(told, [50.0, 95.0, 99.0, 100.0]);
    }
}
