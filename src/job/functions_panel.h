/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of panels, beams and growth by heat, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_PANEL_H
#define MW_JOB_FUNCTIONS_PANEL_H

#include <stdint.h>

#define TRADE_CALL(name) double name(void *host, const double *arguments, uint32_t count)
TRADE_CALL(plate_stiffness);
TRADE_CALL(plate_sag);
TRADE_CALL(plate_sag_clamped);
TRADE_CALL(plate_moment);
TRADE_CALL(panel_sag);
TRADE_CALL(panel_sag_clamped);
TRADE_CALL(panel_sag_bound);
TRADE_CALL(disc_sag);
TRADE_CALL(disc_sag_clamped);
TRADE_CALL(beam_sag);
TRADE_CALL(beam_sag_clamped);
TRADE_CALL(heat_growth);
TRADE_CALL(growth_mismatch);
TRADE_CALL(strip_curvature);
#undef TRADE_CALL

#endif
