// Package decide says how likely one shoe is better than another, by how much, and which
// is the best: the decision model, its chances, and the answer that people act on.
//
// The order of use: [DefaultSettings] for what was held and what is compared, [Fit] over
// the blocks, then [Posterior.Pairs] and [Posterior.Best] with what is known of the
// sensor ([FitGround], [Sensors]), then [Answer] and [Grade]. [Variants] lists the
// analyses that show whether the answer holds under other choices.
//
// # The model
//
// Block i of session and level a(i), session s(i), shoe j(i) and runner r(i), with y the
// logarithm of the outcome:
//
//	y_i = α_a(i) + β_j(i) + γ t_i + κ q_i + k x_i + w_r(i)j(i) + u_s(i)j(i) + e_i
//
// α and β have flat priors. t is the block's midpoint in hours, centred within its
// session; q = t² where the drift may be curved; x = ln(held/target). γ, κ and k have
// normal priors, u, w and e are normal with standard deviations τ (day), ω (runner) and σ
// (block), which have the priors of [Prior]. Given (σ, τ, ω) everything is normal and
// solved exactly: u is integrated out within a shoe's blocks of a session, α within the
// session, w within the runner, β last. The three spreads are integrated by quadrature,
// so every posterior is a mixture of normal distributions.
//
// The package reads no files and knows no dataset: what calls it supplies the blocks.
package decide
