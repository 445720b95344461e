//! The one graph: what depends on what.
//!
//! A change, a check, a sweep, a comparison and an export all read it. Nothing in it recurses: a
//! chain of a hundred thousand dimensions costs no more stack than a chain of two.

use std::collections::{HashMap, VecDeque};

use petgraph::Direction;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::{Dfs, Reversed};

/// Dependencies between numbered things. An edge runs from what is needed to what needs it.
///
/// ```
/// use setout_design::graph::Graph;
/// //   0 ──▶ 1 ──▶ 3
/// //   └───▶ 2 ────┘▶
/// let graph = Graph::new(4, [(0, 1), (0, 2), (1, 3), (2, 3)]);
/// assert_eq!(graph.reach([0]), [1, 2, 3]);
/// assert_eq!(graph.needs([3]), [0, 1, 2]);
/// assert!(graph.cycles().is_empty());
/// ```
#[derive(Clone, Debug)]
pub struct Graph {
    edges: DiGraph<(), (), u32>,
    /// All nodes, so that each stands behind what it needs (cycles apart).
    order: Vec<u32>,
    /// The place of every node in `order`.
    rank: Vec<u32>,
    /// The strongly connected components that are cycles, each sorted.
    cycles: Vec<Vec<u32>>,
}

impl Graph {
    /// A graph of `count` nodes, numbered from 0.
    ///
    /// # Panics
    /// When an edge names a node that is not below `count`.
    pub fn new(count: usize, edges: impl IntoIterator<Item = (u32, u32)>) -> Self {
        let mut graph = DiGraph::with_capacity(count, count);
        for _ in 0..count {
            graph.add_node(());
        }
        for (needed, needing) in edges {
            graph.add_edge(NodeIndex::new(needed as usize), NodeIndex::new(needing as usize), ());
        }
        // Components come with those that need nothing outside last, so backwards is in order.
        let mut components: Vec<Vec<u32>> = kosaraju_scc(&graph)
            .into_iter()
            .map(|component| component.into_iter().map(|node| node.index() as u32).collect())
            .collect();
        components.reverse();
        let order = ordered(&graph, &components);
        let mut rank = vec![0; count];
        for (place, node) in order.iter().enumerate() {
            rank[*node as usize] = place as u32;
        }
        let mut cycles: Vec<Vec<u32>> =
            components.into_iter().filter(|component| is_cycle(&graph, component)).collect();
        cycles.iter_mut().for_each(|cycle| cycle.sort_unstable());
        cycles.sort_unstable();
        Self { edges: graph, order, rank, cycles }
    }

    /// How many nodes there are.
    pub fn len(&self) -> usize {
        self.order.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.order.is_empty()
    }

    /// All nodes in order of dependency: first by the longest way from something that needs
    /// nothing, then by number.
    pub fn order(&self) -> &[u32] {
        &self.order
    }

    /// The place of a node in [`order`](Self::order).
    pub fn rank(&self, node: u32) -> u32 {
        self.rank[node as usize]
    }

    /// The sets of nodes that depend on each other in circles.
    pub fn cycles(&self) -> &[Vec<u32>] {
        &self.cycles
    }

    /// All that depends on any of the nodes, in order of dependency, without the nodes themselves
    /// unless they depend on one another.
    pub fn reach(&self, from: impl IntoIterator<Item = u32>) -> Vec<u32> {
        let mut search = Dfs::empty(&self.edges);
        let mut found = Vec::new();
        for start in from {
            for next in self.dependents(start) {
                search.move_to(NodeIndex::new(next as usize));
                while let Some(node) = search.next(&self.edges) {
                    found.push(node.index() as u32);
                }
            }
        }
        self.sorted(found)
    }

    /// All that any of the nodes needs, in order of dependency.
    pub fn needs(&self, of: impl IntoIterator<Item = u32>) -> Vec<u32> {
        let backwards = Reversed(&self.edges);
        let mut search = Dfs::empty(backwards);
        let mut found = Vec::new();
        for start in of {
            for next in self.dependencies(start) {
                search.move_to(NodeIndex::new(next as usize));
                while let Some(node) = search.next(backwards) {
                    found.push(node.index() as u32);
                }
            }
        }
        self.sorted(found)
    }

    /// What needs a node directly, in order of dependency.
    pub fn dependents(&self, node: u32) -> Vec<u32> {
        self.neighbours(node, Direction::Outgoing)
    }

    /// What a node needs directly, in order of dependency.
    pub fn dependencies(&self, node: u32) -> Vec<u32> {
        self.neighbours(node, Direction::Incoming)
    }

    fn neighbours(&self, node: u32, direction: Direction) -> Vec<u32> {
        let neighbours = self.edges.neighbors_directed(NodeIndex::new(node as usize), direction);
        self.sorted(neighbours.map(|node| node.index() as u32).collect())
    }

    fn sorted(&self, mut nodes: Vec<u32>) -> Vec<u32> {
        nodes.sort_unstable_by_key(|node| self.rank(*node));
        nodes.dedup();
        nodes
    }

    /// Shortest ways from some nodes to all that depends on them, through nodes for which
    /// `through` holds. Found in one sweep, so that asking for every way costs no more than one.
    pub fn ways(&self, from: &[u32], through: impl Fn(u32) -> bool) -> Ways {
        let mut ways = Ways { before: HashMap::new() };
        let mut queue: VecDeque<u32> = from.iter().copied().collect();
        ways.before.extend(
            from.iter().map(|node| (*node, Step { before: *node, start: *node, length: 0 })),
        );
        while let Some(node) = queue.pop_front() {
            let Step { start, length, .. } = ways.before[&node];
            for next in self.dependents(node) {
                if through(next) && !ways.before.contains_key(&next) {
                    ways.before.insert(next, Step { before: node, start, length: length + 1 });
                    queue.push_back(next);
                }
            }
        }
        ways
    }

    /// A shortest circle within a set of nodes that depend on each other, beginning with the node
    /// of the lowest number; the first is not repeated at the end.
    pub fn shortest_cycle(&self, cycle: &[u32]) -> Vec<u32> {
        let inside = |node: u32| cycle.binary_search(&node).is_ok();
        let mut best: Vec<u32> = Vec::new();
        // In a large tangle any circle teaches as much as the shortest one.
        let starts = (LARGEST_SEARCH / cycle.len().max(1)).max(1);
        for start in cycle.iter().take(starts) {
            if let Some(found) = self.circle_through(*start, inside)
                && (best.is_empty() || found.len() < best.len())
            {
                best = found;
            }
            if best.len() == 1 {
                break;
            }
        }
        let lowest = best.iter().enumerate().min_by_key(|(_, node)| **node).map_or(0, |(i, _)| i);
        best.rotate_left(lowest);
        best
    }

    fn circle_through(&self, start: u32, inside: impl Fn(u32) -> bool) -> Option<Vec<u32>> {
        let mut before = HashMap::new();
        let mut queue = VecDeque::from([start]);
        while let Some(node) = queue.pop_front() {
            for next in self.dependents(node) {
                if next == start {
                    let mut path = vec![node];
                    let mut at = node;
                    while at != start {
                        at = before[&at];
                        path.push(at);
                    }
                    path.reverse();
                    return Some(path);
                }
                if inside(next) && !before.contains_key(&next) {
                    before.insert(next, node);
                    queue.push_back(next);
                }
            }
        }
        None
    }
}

/// Shortest ways from some nodes to what depends on them.
#[derive(Clone, Debug)]
pub struct Ways {
    before: HashMap<u32, Step>,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    before: u32,
    start: u32,
    length: u32,
}

impl Ways {
    /// The way to a node, both ends included, empty where there is none. Of a way through more
    /// than `most` nodes only the start and the last ones are given, with `None` between them:
    /// the ways to all of a long chain would else hold as many names as its length squared.
    pub fn to(&self, node: u32, most: usize) -> Vec<Option<u32>> {
        let Some(step) = self.before.get(&node) else { return Vec::new() };
        let whole = step.length as usize + 1;
        let kept = if whole > most { most.saturating_sub(2).max(1) } else { whole };
        let mut way = Vec::with_capacity(kept + 2);
        let mut at = node;
        for _ in 0..kept {
            way.push(Some(at));
            at = self.before[&at].before;
        }
        if kept < whole {
            way.extend([None, Some(step.start)]);
        }
        way.reverse();
        way
    }
}

/// How many nodes the searches for a shortest circle may start from, times the tangle's size.
const LARGEST_SEARCH: usize = 1_000_000;

fn is_cycle(graph: &DiGraph<(), (), u32>, component: &[u32]) -> bool {
    let [only] = component else { return true };
    let only = NodeIndex::new(*only as usize);
    graph.find_edge(only, only).is_some()
}

/// Nodes by the longest way to them, then by number. All of a cycle stand on one level.
fn ordered(graph: &DiGraph<(), (), u32>, components: &[Vec<u32>]) -> Vec<u32> {
    let mut level = vec![0_u32; graph.node_count()];
    let mut home = vec![0_usize; graph.node_count()];
    for (index, component) in components.iter().enumerate() {
        component.iter().for_each(|node| home[*node as usize] = index);
    }
    for (index, component) in components.iter().enumerate() {
        let before = component.iter().flat_map(|node| {
            graph.neighbors_directed(NodeIndex::new(*node as usize), Direction::Incoming)
        });
        let outside = before.filter(|node| home[node.index()] != index);
        let height = outside.map(|node| level[node.index()] + 1).max().unwrap_or(0);
        component.iter().for_each(|node| level[*node as usize] = height);
    }
    let mut order: Vec<u32> = (0..graph.node_count() as u32).collect();
    order.sort_unstable_by_key(|node| (level[*node as usize], *node));
    order
}
