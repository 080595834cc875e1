/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Coats and putty: from the arguments of a formula to the methods of the trade. */
#include "functions_coat.h"

#include "functions_answer.h"
#include "mouldwright/trade_coat.h"

double film_mass(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_film_mass(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}

double wet_film(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_wet_film(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}

double dry_film(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_dry_film(arguments[0], arguments[1], arguments[2], &value);
    return trade_answer(status, value);
}

double spreading_rate(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_spreading_rate(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double issued_volume(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_issued_volume(arguments[0], arguments[1], arguments[2], arguments[3], &value);
    return trade_answer(status, value);
}

/* The mass of that volume. */
double issued_mass(void *host, const double *arguments, uint32_t count)
{
    const double density_kgm3 = arguments[2];
    double volume_m3 = 0.0;
    (void)host, (void)count;
    if (!(density_kgm3 > 0.0)) {
        return trade_answer(MW_TRADE_NO_SENSE, 0.0);
    }
    const mw_trade_status status =
        mw_trade_issued_volume(arguments[0], arguments[1], arguments[3], arguments[4], &volume_m3);
    return trade_answer(status, volume_m3 * density_kgm3);
}

double passes_to_film(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status = mw_trade_passes(arguments[0], arguments[1], &value);
    return trade_answer(status, value);
}

double sprayed_putty(void *host, const double *arguments, uint32_t count)
{
    double value = 0.0;
    (void)host, (void)count;
    const mw_trade_status status =
        mw_trade_sprayed_putty(&(mw_plug_layers){arguments[0], arguments[1], arguments[2]}, &value);
    return trade_answer(status, value);
}
