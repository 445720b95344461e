"""Stack-ups against published examples, derivatives by another package, and simulations by numpy.

Sources:
- JCGM 100:2008 (GUM), H.1; JCGM 101:2008 (its Supplement 1), 9.2; K. W. Chase, "Tolerance Allocation
  Methods for Designers" (BYU); NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6. The figures
  are from memory and were computed again; each stands beside its check.
- uncertainties 3.2.3 (PyPI, BSD-3-Clause): derivatives, standard deviations, shared errors
- numpy and scipy (PyPI, BSD-3-Clause): simulations, quantiles of the normal and the beta distribution

What is held against what, and how closely:
- Derivatives, and what root sum square makes of them, to a part in 10^9 of all contributions.
- The worst case must hold all corners of the tolerances and 20,000 points between them. What is
  said to be reached there must be reached. For chains it must be exact.
- Simulated figures, to six standard errors of both simulations. Their ends are compared by how many
  of numpy's samples lie beyond, so no density is needed; counts by the odds of such a difference.
- With a thousand samples there is no chance left: each is made once more, by the generator that
  `sampling.py` has.
- Limits of odds, to a part in 10^9 of Clopper and Pearson's; where Wilson's score stands in for
  them, to one sample.
- The odds that some pose fails, where they are known, by limits that are passed once in a million
  times; for two axes, sample by sample on a grid of poses.
- The loosest tolerances, by exact algebra, and written into their table.
"""

from stacking_formulas import limits_of_odds, random_formulas
from stacking_loosest import random_chains
from stacking_published import PUBLISHED
from stacking_repeat import made_once_more, same_bytes
from stacking_travel import known_odds, two_axes, two_normal
from support import main

if __name__ == "__main__":
    main("stacking", [*PUBLISHED, random_formulas, limits_of_odds, same_bytes, made_once_more,
                      known_odds, two_normal, two_axes, random_chains])
