/// Monthly normals with every gap filled.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FilledNormals {
    pub night_min_c: [f64; 12],
    pub day_max_c: [f64; 12],
    pub night_min_sd_k: [f64; 12],
    pub day_max_sd_k: [f64; 12],
    pub rh_pct: [f64; 12],
    /// Global radiation, MJ m⁻² d⁻¹.
    pub radiation_mj_m2_d: [f64; 12],
    pub rain_mm: [f64; 12],
    pub rain_days: [f64; 12],
    /// At 10 m, m/s.
    pub wind_m_s: [f64; 12],
    pub turbidity_linke: [f64; 12],
}
