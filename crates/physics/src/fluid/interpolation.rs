//! Cubic Hermite interpolation on one and two axes: numerical kernels on bare numbers.

/// Derivative of the polynomial through the points `(x[i], y[i])` at `x[at]` (Lagrange form).
fn lagrange_slope(x: &[f64], y: &[f64], at: usize) -> f64 {
    let node = x[at];
    let mut slope = 0.0;
    for (i, (&xi, &yi)) in x.iter().zip(y).enumerate() {
        let weight = if i == at {
            x.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, &xj)| 1.0 / (xi - xj)).sum::<f64>()
        } else {
            let others = x.iter().enumerate().filter(|(j, _)| *j != i && *j != at);
            others.fold(1.0 / (xi - node), |product, (_, &xj)| product * (node - xj) / (xi - xj))
        };
        slope += weight * yi;
    }
    slope
}

/// Slopes at all nodes, each from the polynomial through the five nearest nodes (fourth order), fewer on short axes.
pub(super) fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let width = x.len().min(5);
    (0..x.len())
        .map(|i| {
            let start = i.saturating_sub(width / 2).min(x.len() - width);
            lagrange_slope(&x[start..start + width], &y[start..start + width], i - start)
        })
        .collect()
}

/// Strictly rising nodes of an axis, with a table that finds the interval of a value without a search.
#[derive(Clone, Debug)]
pub(super) struct Axis {
    nodes: Vec<f64>,
    bucket_per_unit: f64,
    buckets: Vec<u16>,
}

impl Axis {
    /// `None` unless there are two or more strictly rising, finite nodes.
    pub(super) fn new(nodes: Vec<f64>) -> Option<Self> {
        let rising =
            nodes.len() >= 2 && nodes.len() < usize::from(u16::MAX) && nodes.iter().all(|x| x.is_finite());
        if !rising || nodes.windows(2).any(|pair| pair[1] <= pair[0]) {
            return None;
        }
        let count = 8 * nodes.len();
        let (low, high) = (nodes[0], nodes[nodes.len() - 1]);
        let bucket_per_unit = count as f64 / (high - low);
        let buckets = (0..count)
            .map(|bucket| {
                let left = low + bucket as f64 / bucket_per_unit;
                (nodes.partition_point(|&x| x <= left).saturating_sub(1)) as u16
            })
            .collect();
        Some(Self { nodes, bucket_per_unit, buckets })
    }

    pub(super) fn nodes(&self) -> &[f64] {
        &self.nodes
    }

    pub(super) fn low(&self) -> f64 {
        self.nodes[0]
    }

    pub(super) fn high(&self) -> f64 {
        self.nodes[self.nodes.len() - 1]
    }

    pub(super) fn contains(&self, x: f64) -> bool {
        (self.low()..=self.high()).contains(&x)
    }

    /// Index of the interval that holds `x`, which must lie on the axis.
    pub(super) fn interval(&self, x: f64) -> usize {
        let bucket = (((x - self.nodes[0]) * self.bucket_per_unit) as usize).min(self.buckets.len() - 1);
        let mut i = usize::from(self.buckets[bucket]);
        while i + 2 < self.nodes.len() && x >= self.nodes[i + 1] {
            i += 1;
        }
        while i > 0 && x < self.nodes[i] {
            i -= 1;
        }
        i
    }

    /// Interval, position within it (0 to 1) and its width.
    pub(super) fn locate(&self, x: f64) -> (usize, f64, f64) {
        let i = self.interval(x);
        let width = self.nodes[i + 1] - self.nodes[i];
        (i, (x - self.nodes[i]) / width, width)
    }
}

/// One interval's cubic in its local coordinate 0 to 1.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cubic([f64; 4]);

impl Cubic {
    pub(super) fn hermite(f0: f64, f1: f64, slope0: f64, slope1: f64) -> Self {
        Self([f0, slope0, 3.0 * (f1 - f0) - 2.0 * slope0 - slope1, 2.0 * (f0 - f1) + slope0 + slope1])
    }

    pub(super) fn at(&self, t: f64) -> f64 {
        let [a, b, c, d] = self.0;
        a + t * (b + t * (c + t * d))
    }

    fn slope(&self, t: f64) -> f64 {
        let [_, b, c, d] = self.0;
        b + t * (2.0 * c + t * 3.0 * d)
    }

    /// Position 0 to 1 where a monotone cubic takes `value`.
    ///
    /// The start corrects the chord by the piece's own bend there; Newton squares what is left, so that after a step
    /// below 3e-5 less than 1e-10 is left on pieces as straight as those of a property table. A piece that is more bent
    /// goes on by bisection.
    pub(super) fn position_of(&self, value: f64) -> f64 {
        let [a, b, c, d] = self.0;
        let rise = b + c + d;
        let chord = (value - a) / rise;
        let mut t = chord + chord * (1.0 - chord) * (c + d * (1.0 + chord)) / rise;
        for _ in 0..5 {
            let step = (self.at(t) - value) / self.slope(t);
            t -= step;
            if step.abs() < 3e-5 && (-1e-9..=1.0 + 1e-9).contains(&t) {
                return t;
            }
        }
        self.bisected(value, rise > 0.0)
    }

    fn bisected(&self, value: f64, rising: bool) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if (self.at(middle) > value) == rising { high = middle } else { low = middle }
        }
        0.5 * (low + high)
    }
}

/// A column over one axis.
#[derive(Clone, Debug)]
pub(super) struct Curve(Vec<Cubic>);

impl Curve {
    pub(super) fn new(axis: &Axis, values: &[f64]) -> Self {
        let slope = slopes(axis.nodes(), values);
        let cubics = axis.nodes().windows(2).enumerate().map(|(i, pair)| {
            let width = pair[1] - pair[0];
            Cubic::hermite(values[i], values[i + 1], slope[i] * width, slope[i + 1] * width)
        });
        Self(cubics.collect())
    }

    pub(super) fn at(&self, interval: usize, t: f64) -> f64 {
        self.0[interval].at(t)
    }

    pub(super) fn cubic(&self, interval: usize) -> &Cubic {
        &self.0[interval]
    }
}

/// Hermite weights of (value left, value right, slope left, slope right) at local position `t`; slopes per unit of
/// the axis, hence the interval's `width`.
fn weights(t: f64, width: f64) -> [f64; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [2.0 * t3 - 3.0 * t2 + 1.0, 3.0 * t2 - 2.0 * t3, width * (t3 - 2.0 * t2 + t), width * (t3 - t2)]
}

/// `COUNT` columns over the same two axes: bicubic Hermite, once continuously differentiable.
#[derive(Clone, Debug)]
pub(super) struct Surfaces<const COUNT: usize> {
    columns: usize,
    /// For each node and column: value, slope along the rows' axis, slope along the columns' axis, cross slope.
    nodes: Vec<[[f64; 4]; COUNT]>,
}

impl<const COUNT: usize> Surfaces<COUNT> {
    /// Each of `values` holds the full product, index = row index * columns + column index.
    pub(super) fn new(rows: &Axis, columns: &Axis, values: [&[f64]; COUNT]) -> Self {
        let (m, n) = (rows.nodes().len(), columns.nodes().len());
        let along_rows = |table: &[f64]| {
            let mut out = vec![0.0; m * n];
            for j in 0..n {
                let column: Vec<f64> = (0..m).map(|i| table[i * n + j]).collect();
                for (i, slope) in slopes(rows.nodes(), &column).into_iter().enumerate() {
                    out[i * n + j] = slope;
                }
            }
            out
        };
        let mut nodes = vec![[[0.0; 4]; COUNT]; m * n];
        for (which, table) in values.into_iter().enumerate() {
            let by_column: Vec<f64> = table.chunks(n).flat_map(|row| slopes(columns.nodes(), row)).collect();
            let (by_row, cross) = (along_rows(table), along_rows(&by_column));
            for (k, node) in nodes.iter_mut().enumerate() {
                node[which] = [table[k], by_row[k], by_column[k], cross[k]];
            }
        }
        Self { columns: n, nodes }
    }

    /// Value of a column at column node `j` between rows, and its slope along the columns' axis.
    fn collapsed(&self, slice: &Slice, which: usize, j: usize) -> (f64, f64) {
        let at = slice.row * self.columns + j;
        let (left, right) = (&self.nodes[at][which], &self.nodes[at + self.columns][which]);
        let [w0, w1, w2, w3] = slice.weights;
        (
            w0 * left[0] + w1 * right[0] + w2 * left[1] + w3 * right[1],
            w0 * left[2] + w1 * right[2] + w2 * left[3] + w3 * right[3],
        )
    }

    /// Value of a column at column node `j`.
    pub(super) fn node(&self, slice: &Slice, which: usize, j: usize) -> f64 {
        self.collapsed(slice, which, j).0
    }

    /// The cubic of a column over the column interval `j` of width `width`.
    pub(super) fn cubic(&self, slice: &Slice, which: usize, j: usize, width: f64) -> Cubic {
        let (f0, s0) = self.collapsed(slice, which, j);
        let (f1, s1) = self.collapsed(slice, which, j + 1);
        Cubic::hermite(f0, f1, s0 * width, s1 * width)
    }
}

/// A fixed position on the rows' axis, from which surfaces are read along the columns' axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slice {
    row: usize,
    weights: [f64; 4],
}

impl Slice {
    pub(super) fn new(rows: &Axis, x: f64) -> Self {
        let (row, t, width) = rows.locate(x);
        Self { row, weights: weights(t, width) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn slopes_are_exact_for_quartics_on_uneven_nodes() {
        let x = [0.0, 1.0, 2.5, 3.0, 4.5, 7.0, 7.5];
        let f = |x: f64| 1.0 - 2.0 * x + 0.5 * x.powi(3) - 0.1 * x.powi(4);
        let y: Vec<f64> = x.iter().map(|&x| f(x)).collect();
        for (slope, &x) in slopes(&x, &y).iter().zip(&x) {
            assert_relative_eq!(
                *slope,
                -2.0 + 1.5 * x * x - 0.4 * x.powi(3),
                max_relative = 1e-9,
                epsilon = 1e-9
            );
        }
    }

    #[test]
    fn axis_finds_every_interval_and_both_ends() {
        let axis = Axis::new(vec![0.0, 1.0, 1.5, 10.0, 11.0]).unwrap();
        for (x, interval) in
            [(0.0, 0), (0.999, 0), (1.0, 1), (1.49, 1), (1.5, 2), (9.9, 2), (10.0, 3), (11.0, 3)]
        {
            assert_eq!(axis.interval(x), interval, "{x}");
        }
        assert!(Axis::new(vec![0.0]).is_none() && Axis::new(vec![0.0, 0.0]).is_none());
        assert!(Axis::new(vec![0.0, f64::NAN]).is_none());
    }

    #[test]
    fn cubic_inverts_rising_and_falling_pieces() {
        let nearly_straight = Cubic::hermite(1.0, 4.0, 2.9, 3.1);
        for cubic in
            [nearly_straight, Cubic::hermite(1.0, 4.0, 0.2, 9.0), Cubic::hermite(4.0, 1.0, -6.0, -0.1)]
        {
            for k in 0..=20 {
                let t = f64::from(k) / 20.0;
                assert_relative_eq!(cubic.position_of(cubic.at(t)), t, epsilon = 1e-9);
            }
        }
    }

    #[test]
    fn surface_reproduces_a_bicubic() {
        let rows = Axis::new((0..8).map(f64::from).collect()).unwrap();
        let columns = Axis::new(vec![0.0, 0.5, 2.0, 3.0, 4.5, 5.0]).unwrap();
        let f = |x: f64, y: f64| (1.0 + x - 0.1 * x.powi(3)) * (2.0 - y * y + 0.2 * y.powi(3));
        let values: Vec<f64> =
            rows.nodes().iter().flat_map(|&x| columns.nodes().iter().map(move |&y| f(x, y))).collect();
        let doubled: Vec<f64> = values.iter().map(|value| 2.0 * value).collect();
        let surfaces = Surfaces::new(&rows, &columns, [&values, &doubled]);
        for (x, y) in [(0.3, 0.1), (3.7, 2.9), (6.9, 4.9), (7.0, 5.0), (0.0, 0.0)] {
            let (j, t, width) = columns.locate(y);
            let slice = Slice::new(&rows, x);
            for (which, times) in [(0, 1.0), (1, 2.0)] {
                let found = surfaces.cubic(&slice, which, j, width).at(t);
                assert_relative_eq!(found, times * f(x, y), max_relative = 1e-10, epsilon = 1e-10);
                let at_node = surfaces.node(&slice, which, j);
                assert_relative_eq!(
                    at_node,
                    times * f(x, columns.nodes()[j]),
                    max_relative = 1e-10,
                    epsilon = 1e-10
                );
            }
        }
    }
}
