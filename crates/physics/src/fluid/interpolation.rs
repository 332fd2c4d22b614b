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
    /// Reciprocal widths of the intervals: a product costs a fraction of a division.
    per_width: Vec<f64>,
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
        let per_width = nodes.windows(2).map(|pair| 1.0 / (pair[1] - pair[0])).collect();
        Some(Self { nodes, per_width, bucket_per_unit, buckets })
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

    /// Interval, and position within it (0 to 1).
    pub(super) fn locate(&self, x: f64) -> (usize, f64) {
        let i = self.interval(x);
        (i, self.position(i, x))
    }

    pub(super) fn position(&self, interval: usize, x: f64) -> f64 {
        (x - self.nodes[interval]) * self.per_width[interval]
    }

    /// Reciprocal width of an interval.
    pub(super) fn per_width(&self, interval: usize) -> f64 {
        self.per_width[interval]
    }

    fn width(&self, interval: usize) -> f64 {
        self.nodes[interval + 1] - self.nodes[interval]
    }

    /// The value at a position within an interval.
    pub(super) fn value(&self, interval: usize, t: f64) -> f64 {
        self.nodes[interval] + t * self.width(interval)
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

    /// Position 0 to 1 where a monotone cubic takes `value`, from the chord corrected by the piece's own bend there.
    /// `per_rise` is the reciprocal of the rise over the piece.
    pub(super) fn position_of(&self, per_rise: f64, value: f64) -> f64 {
        let [a, _, c, d] = self.0;
        let chord = (value - a) * per_rise;
        self.position_from(chord + chord * (1.0 - chord) * (c + d * (1.0 + chord)) * per_rise, value)
    }

    /// Position 0 to 1 where a monotone cubic takes `value`, from a position near it.
    ///
    /// Halley's method cubes what is left, so that after a step below 3e-4 less than 1e-9 is left on pieces as straight as
    /// those of a property table. A piece that is more bent goes on by bisection.
    pub(super) fn position_from(&self, start: f64, value: f64) -> f64 {
        let [_, b, c, d] = self.0;
        let mut t = start;
        for _ in 0..5 {
            let (excess, slope, bend) = (self.at(t) - value, self.slope(t), 2.0 * c + 6.0 * d * t);
            let step = 2.0 * excess * slope / (2.0 * slope * slope - excess * bend);
            t -= step;
            if step.abs() < 3e-4 && (-1e-9..=1.0 + 1e-9).contains(&t) {
                return t;
            }
        }
        self.bisected(value, b + c + d > 0.0)
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
    /// For each node: values, slopes along the rows' axis, slopes along the columns' axis, cross slopes; each of all
    /// columns side by side, so that one instruction works on several.
    nodes: Vec<[[f64; COUNT]; 4]>,
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
        let mut nodes = vec![[[0.0; COUNT]; 4]; m * n];
        for (which, table) in values.into_iter().enumerate() {
            let by_column: Vec<f64> = table.chunks(n).flat_map(|row| slopes(columns.nodes(), row)).collect();
            let (by_row, cross) = (along_rows(table), along_rows(&by_column));
            for (k, node) in nodes.iter_mut().enumerate() {
                for (component, value) in node.iter_mut().zip([table[k], by_row[k], by_column[k], cross[k]]) {
                    component[which] = value;
                }
            }
        }
        Self { columns: n, nodes }
    }

    fn pair(&self, slice: &Slice, j: usize) -> (&[[f64; COUNT]; 4], &[[f64; COUNT]; 4]) {
        let at = slice.row * self.columns + j;
        (&self.nodes[at], &self.nodes[at + self.columns])
    }

    /// Value of a column at column node `j`.
    pub(super) fn node(&self, slice: &Slice, which: usize, j: usize) -> f64 {
        let (left, right) = self.pair(slice, j);
        let [w0, w1, w2, w3] = slice.weights;
        w0 * left[0][which] + w1 * right[0][which] + w2 * left[1][which] + w3 * right[1][which]
    }

    /// Slope of a column along the columns' axis at column node `j`.
    fn slope(&self, slice: &Slice, which: usize, j: usize) -> f64 {
        let (left, right) = self.pair(slice, j);
        let [w0, w1, w2, w3] = slice.weights;
        w0 * left[2][which] + w1 * right[2][which] + w2 * left[3][which] + w3 * right[3][which]
    }

    /// The cubic of a column over the column interval `j`.
    pub(super) fn cubic(&self, slice: &Slice, which: usize, columns: &Axis, j: usize) -> Cubic {
        let (width, value, slope) =
            (columns.width(j), |j| self.node(slice, which, j), |j| self.slope(slice, which, j));
        Cubic::hermite(value(j), value(j + 1), slope(j) * width, slope(j + 1) * width)
    }

    /// Values of all columns at position `t` of the column interval `j`.
    pub(super) fn at(&self, slice: &Slice, columns: &Axis, j: usize, t: f64) -> [f64; COUNT] {
        let [c0, c1, c2, c3] = weights(t, columns.width(j));
        let [w0, w1, w2, w3] = slice.weights;
        let mut found = [0.0; COUNT];
        for ((left, right), (of_value, of_slope)) in
            [(self.pair(slice, j), (c0, c2)), (self.pair(slice, j + 1), (c1, c3))]
        {
            for (which, sum) in found.iter_mut().enumerate() {
                let value =
                    w0 * left[0][which] + w1 * right[0][which] + w2 * left[1][which] + w3 * right[1][which];
                let slope =
                    w0 * left[2][which] + w1 * right[2][which] + w2 * left[3][which] + w3 * right[3][which];
                *sum += of_value * value + of_slope * slope;
            }
        }
        found
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
        Self::within(rows, rows.interval(x), x)
    }

    /// Index of the row on the left.
    pub(super) fn row(&self) -> usize {
        self.row
    }

    /// Where the interval is known.
    pub(super) fn within(rows: &Axis, row: usize, x: f64) -> Self {
        Self { row, weights: weights(rows.position(row, x), rows.width(row)) }
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
    fn inner_slopes_look_as_far_to_the_left_as_to_the_right() {
        // On a quintic the fourth-order slope misses by h^4/30 of the fifth derivative where it is centred, by more elsewhere.
        let x: Vec<f64> = (0..7).map(f64::from).collect();
        let y: Vec<f64> = x.iter().map(|x| x.powi(5)).collect();
        assert_relative_eq!(slopes(&x, &y)[3], 5.0 * 81.0 - 120.0 / 30.0, max_relative = 1e-9);
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
    fn axis_finds_its_own_nodes_and_their_neighbours_whatever_the_rounding() {
        for count in 5..200 {
            // Of even nodes many fall on edges of buckets, where a value below the node may round into the bucket above.
            for power in [1.0, 1.3] {
                let nodes: Vec<f64> = (0..count).map(|i| 0.1 * f64::from(i).powf(power) - 3.7).collect();
                let axis = Axis::new(nodes.clone()).unwrap();
                for (i, pair) in nodes.windows(2).enumerate() {
                    assert_eq!((axis.interval(pair[0]), axis.interval(pair[1].next_down())), (i, i));
                    assert_relative_eq!(axis.per_width(i) * (pair[1] - pair[0]), 1.0, max_relative = 1e-15);
                }
            }
        }
    }

    /// Where a piece is flat at one end, steps shrink too slowly and bisection takes over.
    #[test]
    fn cubic_inverts_flat_ends() {
        for sign in [1.0, -1.0] {
            for (cubic, power) in [(Cubic([0.0, 0.0, sign, 0.0]), 2), (Cubic([0.0, 0.0, 0.0, sign]), 3)] {
                let found = cubic.position_from(0.5, sign * 1e-5_f64.powi(power));
                assert_relative_eq!(found, 1e-5, epsilon = 1e-12);
            }
        }
    }

    #[test]
    fn cubic_inverts_rising_and_falling_pieces() {
        let nearly_straight = Cubic::hermite(1.0, 4.0, 2.9, 3.1);
        for cubic in
            [nearly_straight, Cubic::hermite(1.0, 4.0, 0.2, 9.0), Cubic::hermite(4.0, 1.0, -6.0, -0.1)]
        {
            for k in 0..=20 {
                let t = f64::from(k) / 20.0;
                assert_relative_eq!(
                    cubic.position_of(1.0 / (cubic.at(1.0) - cubic.at(0.0)), cubic.at(t)),
                    t,
                    epsilon = 1e-9
                );
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
            let (j, t) = columns.locate(y);
            let slice = Slice::new(&rows, x);
            let found = surfaces.at(&slice, &columns, j, t);
            for (which, times) in [(0, 1.0), (1, 2.0)] {
                let along = surfaces.cubic(&slice, which, &columns, j).at(t);
                assert_relative_eq!(found[which], along, max_relative = 1e-12, epsilon = 1e-12);
                assert_relative_eq!(found[which], times * f(x, y), max_relative = 1e-10, epsilon = 1e-10);
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
