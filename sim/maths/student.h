// SPDX-License-Identifier: MIT
// Student's distribution for a whole number of degrees of freedom, as far as an interval of a
// fitted value needs it.
#pragma once

// Share of the distribution within -t ... t, t >= 0.
double student_within(double t, long freedom);

// The t that encloses a share (0 to below 1) of it.
double student_quantile(double share, long freedom);
