//! Exponential and logarithm for arguments near zero, where most of the work of a leap is: short series that are
//! quicker than the general functions, which take over farther out.

/// exp(x); relative error below 1e-9.
#[inline]
#[must_use]
pub fn exp_near_zero(x: f64) -> f64 {
    if x.abs() < 0.05 {
        let x2 = x * x;
        (1.0 + x) + x2 * ((1.0 / 2.0 + x * (1.0 / 6.0)) + x2 * (1.0 / 24.0 + x * (1.0 / 120.0)))
    } else {
        x.exp()
    }
}

/// ln(1 + x); relative error below 1e-9.
#[inline]
#[must_use]
pub fn ln_above(x: f64) -> f64 {
    if x.abs() < 0.05 {
        // ln(1 + x) = 2 artanh(x / (2 + x)), whose series has odd powers only.
        let y = x / (2.0 + x);
        let y2 = y * y;
        2.0 * y * (1.0 + y2 * (1.0 / 3.0 + y2 * (1.0 / 5.0 + y2 / 7.0)))
    } else {
        x.ln_1p()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn series_agree_with_the_general_functions() {
        for k in -2000..=2000 {
            let x = f64::from(k) * 1e-4;
            assert!((exp_near_zero(x) / x.exp() - 1.0).abs() < 1e-9, "exp {x}");
            assert!((ln_above(x) - x.ln_1p()).abs() <= 1e-9 * x.abs(), "ln {x}");
        }
    }
}
