//! The help of `clerestory calc`: every kind with its fields and its answer.

pub(crate) const CALC_HELP: &str = "\
Each line names its kind in `calc` and gives exactly the fields of that kind. Answers come in the same order; a
refused line answers {\"error\": \"path: expected …, found …\"}. Spectra are 81 numbers, 380 to 780 nm by 5; if a
single number is given instead, the answer is a number too. Undefined values are null.

  sun              utc, latitude_deg, longitude_deg, elevation_m, pressure_hpa, temperature_c, delta_t_s
                   → zenith_deg, apparent_zenith_deg, azimuth_deg, equation_of_time_min
  rise_set         date (local), utc_offset_h, latitude_deg, longitude_deg, delta_t_s
                   → sunrise_utc, transit_utc, sunset_utc, polar (day, night or null)
  clear_spectra    apparent_zenith_deg, day_of_year, pressure_hpa, precipitable_water_cm, ozone_atm_cm, aod_500nm,
                   angstrom_exponent, single_scattering_albedo_400nm, wavelength_variation, ground_albedo
                   → beam_normal, diffuse_horizontal (W/m²/nm)
  cie_sky          type, sun_altitude_deg, directions [[zenith_deg, azimuth_from_sun_deg], …] → relative_luminance
  clear_sky        as clear_spectra, and directions → radiance (W/m²/sr/nm), luminance (cd/m²); or
                   turbidity, ground_albedo, sun_altitude_deg, directions, raw: true
                   → radiance of the pattern itself, 320 to 720 nm by 40
  colour           spectrum, illuminant (A, C, D50, D55, D65, D75, E, {cct} or {spd}), observer (2 or 10)
                   → X, Y, Z (Y = 100 for a clear piece), x, y, u_prime, v_prime, L, a, b, cct_k and duv (2°),
                   dominant_nm (purples: the complementary one, negative), excitation_purity
  difference       lab1, lab2 → ciede2000
  adapt            xyz, from_white, to_white, degree → xyz (CAT16)
  rendering        spd → ra, r (14)
  stack            angle_deg, layers [{n, tau_internal}, …], outside first → transmittance, reflectance (from outside)
  recipe           amounts {colourant: amount}, thickness_mm, n, angle_deg → internal (along the normal), transmittance
  glass            id, thickness_mm, angle_deg → transmittance, internal (along the normal), provenance; of a glass that
                   scatters, scatters (share), lobe_share (of that, near its old direction), lobe_half_width_deg,
                   lobe_origin
  glare_spread     angle_deg, age, pigmentation → per_sr
  room             size_m [w, h, d], surfaces {window_wall, back_wall, left_wall, right_wall, floor, ceiling},
                   pieces [{rect_m [x0, x1, y0, y1], radiance} or {rect_m, tau_internal, n}, …],
                   sky {cie_type, sun_altitude_deg, sun_bearing_deg, diffuse_horizontal, ground_radiance},
                   points [{at, normal}, …] → direct, indirect (irradiance, one a point)
  sun_patch        size_m, pieces [{rect_m}, …], sun_altitude_deg, sun_bearing_deg
                   → patches [{piece, surface, polygon, area_m2}, …], pieces counted from 0
  pieces_to_point  polygons [[[x, y, z], …], …], radiance [one each], point, normal → irradiance
  uncertainty      glass, thickness_mm, absorbance_per_mm_base10 {glass: spectrum}; what is not known: sigma_ln_absorbance
                   with correlation_nm, sigma_thickness_mm, sigma_edge_nm; paint_density with sigma_density or
                   sigma_ln_density → Y_median, Y_p05, Y_p95, sd_ln_Y (D65, internal, Y = 1 for clear), or
                   pieces [{area_m2, thickness_mm, amounts {colourant: amount}, paint_density}, …],
                   absorbance_per_mm_base10 {colourant: spectrum}; sigma_ln_shared {colourant: sigma} for all pieces,
                   sigma_ln_own for each piece, sigma_thickness_mm (thickness_shared), sigma_ln_density (density_shared)
                   → mean_Y_median, mean_Y_p05, mean_Y_p95, sd_ln_mean_Y; with draws (at most) if you like;
                   sd_ln is null if no light passes
  streak           first, second (absorbance per mm, base 10: spectra, or names in absorbance_per_mm_base10 {glass:
                   spectrum}), thickness_mm, mix_mean and mix_sd (share of second), illuminant → XYZ_mean_of_T (internal, Y = 100 for clear)
  reveal           width_m, height_m, outer_depth_m (glass behind the wall's outer face); then one or both of
                   outer_reflectance, ground_reflectance, sky {cie_type, diffuse_horizontal_lx, sun_bearing_deg,
                   sun_altitude_deg} → mean_factor (light on the glass over that without the reveal)
                   suns [[bearing_deg, altitude_deg], …] → lit_share (of the glass, one a sun; parallel beam)
  outdoors         sky {cie_type, diffuse_horizontal_lx, sun_bearing_deg, sun_altitude_deg, beam_normal_lx},
                   window_middle_height_m, ground_reflectance, own_building {height_m, reflectance}, nothing or one of
                   street {distance_m, height_m or skyline_altitude_deg, reflectance} and
                   block {distance_m, x0_m and x1_m or front_bearings_deg, height_m, depth_m, reflectance},
                   look [[bearing_deg, altitude_deg], …] if you like
                   → vertical_illuminance {total_lx, sky_lx, ground_lx, facade_lx, sun_lx}, luminance_cd_m2 (one a look)

Rooms: metres; x right as seen from inside facing the window wall, y up, z into the room, origin at the wall's lower-left
corner; bearings clockwise from the outward normal of the glass. Panes send none of the room's light back.
Outdoors: the same axes, but y from the ground and x from the window's middle; height 0 means no own building.
uncertainty, streak, reveal and outdoors take a case of a table of check data as it stands, beside calc: its name and its
answers are not read. Put in what the table says once for all its cases: absorbance_per_mm_base10 for uncertainty and
streak, illuminant (D65) for streak. Of reveal, a case with rows of suns and without sky answers lit_share, one a row; a
case with inner (the reveal behind the glass) answers mean_factor alone, nothing of the room.

Example:
  echo '{\"calc\":\"stack\",\"angle_deg\":60,\"layers\":[{\"n\":1.52,\"tau_internal\":0.9}]}' | clerestory calc";
