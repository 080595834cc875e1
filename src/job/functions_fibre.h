/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of micromechanics, as the table of functions calls them. */
#ifndef MW_JOB_FUNCTIONS_FIBRE_H
#define MW_JOB_FUNCTIONS_FIBRE_H

#include <stdint.h>

#define TRADE_CALL(name) double name(void *host, const double *arguments, uint32_t count)
TRADE_CALL(along_fibres);
TRADE_CALL(across_fibres);
TRADE_CALL(halpin_tsai);
TRADE_CALL(shear_shape);
TRADE_CALL(chamis_across);
TRADE_CALL(krenchel_efficiency);
TRADE_CALL(krenchel_modulus);
TRADE_CALL(fibre_spacing);
TRADE_CALL(fibre_growth);
TRADE_CALL(cloth_modulus);
TRADE_CALL(cloth_poisson);
TRADE_CALL(cloth_growth);
#undef TRADE_CALL

#endif
